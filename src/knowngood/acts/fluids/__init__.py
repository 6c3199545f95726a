"""What a person does with fluids: pour, level, renew, top up, and wait for the check window."""
