"""The store on disk: tables, rows, and what reads and writes them; `benchleaf.graph.store` opens it."""
