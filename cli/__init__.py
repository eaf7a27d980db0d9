"""What people touch: commands, tables and JSON. Every command opens the store, asks once, renders."""
