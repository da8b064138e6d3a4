"""What is known of cups that hold liquid and wait for the sample."""
