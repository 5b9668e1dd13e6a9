"""What a command does once it is understood, joined from the layers below; one errand a module."""
