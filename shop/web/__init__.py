"""The pages: read the form, call one use case, choose a page."""
