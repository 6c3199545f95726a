"""The server: routes, who may see what, uploads, faults, and what works beside the requests."""
