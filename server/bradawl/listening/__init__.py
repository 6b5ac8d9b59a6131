"""What stands between the network and the application: ports, connections, requests."""
