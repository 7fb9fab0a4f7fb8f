"""The server from outside: routes, security, streams, restarts and faults."""
