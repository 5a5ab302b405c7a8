"""What is prepared before the shoot: bowls for the recipe's lines, and stages of the dish."""
