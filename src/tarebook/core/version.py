"""The version of the program, said once; the package's metadata is compared with it by a test."""

VERSION = "0.1.0"
