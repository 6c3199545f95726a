"""What a person does about a fault: suspect, test, decide at the open cover, watch, and prove that it is gone."""
