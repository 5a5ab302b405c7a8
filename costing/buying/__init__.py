"""From shots to the shopping list and to what the food is worth."""
