"""Tables, fonts and icons that the program carries."""
