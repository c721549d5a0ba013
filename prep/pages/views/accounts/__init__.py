"""Pages of signing in, switching user, and the devices it is done on."""
