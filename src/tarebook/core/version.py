"""The version of the program, said here alone: the package takes it from this line."""

VERSION = "0.2.0"
