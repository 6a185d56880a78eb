"""The calls of the service, one module each. ``registry`` lists them, ``perform`` answers a request."""
