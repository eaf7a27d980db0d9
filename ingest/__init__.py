"""From a file to statements: bytes to pages, pages to items and sentences, sentences to statements."""
