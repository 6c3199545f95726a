"""From what was typed to events: decided and kept in one transaction."""
