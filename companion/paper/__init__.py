"""What is printed or sent: the sheet, the page for the coach, the QR code."""
