"""The data of `manage.py demo`. Every name, number and machine in it is invented."""
