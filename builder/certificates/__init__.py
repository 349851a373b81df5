"""What is issued: the certificate as it was handed over, and how it is told from any other."""
