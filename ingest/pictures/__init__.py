"""Pictures of the source: whole sheets, marked pages and cut-out places, drawn from the kept originals."""
