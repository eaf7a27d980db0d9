"""Office papers to pages: web pages, e-mails, word processor files, workbooks."""
