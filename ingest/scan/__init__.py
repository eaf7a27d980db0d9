"""Scans and photos to pages: cleaned, turned, straightened, read by OCR."""
