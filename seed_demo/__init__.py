"""An invented shop, told as a story through the use cases; also a tour of the code."""
