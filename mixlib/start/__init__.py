"""Opening the workbook: the reader's copies of the lessons, and the server that shows them."""
