"""What is printed: Rich renderables over the JSON shapes."""
