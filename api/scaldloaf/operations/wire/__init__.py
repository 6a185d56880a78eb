"""Objects that several calls share, read from requests and written to replies."""
