"""What the statements mean together: model, store, supersession, overrides, procedure, kits, week."""
