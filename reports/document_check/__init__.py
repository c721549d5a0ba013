"""Checks that anybody may make of a document's number, or of a file they hold."""
