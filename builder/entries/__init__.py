"""What a maker writes down from day to day, put into the records: entries, new instruments, repeat orders.

Each module says what is to be written where; `keeping` writes it, when the very readers that read every record have
found nothing wrong with it.
"""
