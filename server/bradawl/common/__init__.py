"""What every part may use: settings, errors, templates, texts made fit to be shown."""
