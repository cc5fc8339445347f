"""Pictures as text: no widget, no matplotlib."""
