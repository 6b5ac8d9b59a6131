"""What stands between a network and a route: headers, sizes, the server on the LAN."""
