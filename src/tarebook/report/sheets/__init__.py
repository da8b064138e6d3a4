"""What is printed before the lesson: sheets, labels, lists, handout, key, hazards."""
