"""One cook as a page to send or to print: HTML, PDF or PNG, complete in one file."""
