"""How a device is paired: the code, its square, and the home where it finds the service."""
