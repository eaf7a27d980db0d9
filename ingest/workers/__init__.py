"""Processes that read files, with limits of time and memory."""
