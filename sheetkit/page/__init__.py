"""Summary and Cut plan on one printed page, made into a PDF by LibreOffice."""
