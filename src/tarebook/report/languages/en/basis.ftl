basis-read = seen in the source
basis-secondary = seen in a work that quotes it
basis-library = value of a software library
basis-computed = worked out
basis-memory = from memory, not looked up again
basis-common_practice = common practice
basis-declared = stated in the definition
basis-found = found
