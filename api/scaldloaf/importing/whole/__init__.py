"""What only the list as a whole shows: a scald listed twice, what is beside the dough, a wrong reading."""
