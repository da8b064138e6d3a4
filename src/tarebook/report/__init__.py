"""Text, pages, charts, print and workbook: values in, str or bytes out."""
