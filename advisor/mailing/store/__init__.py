"""The list's database: its tables, and what is read from and put into them."""
