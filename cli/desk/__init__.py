"""The desk: the same answers as local web pages, for the tablet on the bench."""
