"""One small module per command; each is imported only when its command is called."""
