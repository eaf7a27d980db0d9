"""Papers that are no PDF: e-mails, saved web pages, Word files, workbooks."""
