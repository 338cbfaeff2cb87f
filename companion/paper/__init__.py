"""What is printed or sent: the sheet, the page for the coach, and the QR code of a link."""
