"""Reading in processes of their own: here, in warm workers, on a cluster."""
