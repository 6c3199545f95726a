"""Which caution is said at which step."""
