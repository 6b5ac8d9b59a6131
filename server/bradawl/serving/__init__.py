"""What a browser is handed: the phone app's files and what a phone takes along offline."""
