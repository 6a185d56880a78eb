"""What the method says: of the scald, of amounts, of what is on the crust."""
