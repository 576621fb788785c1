"""A packaged gazetteer: towns and postcodes to places. Nothing here uses the network."""
