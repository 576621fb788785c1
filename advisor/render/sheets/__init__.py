"""Plans as pages and plain data: free days, work plans, amounts."""
