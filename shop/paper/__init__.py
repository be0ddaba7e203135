"""Papers: the customer's quote and the weaver's cost sheet. Core values and words in, the bytes of a PDF out."""
