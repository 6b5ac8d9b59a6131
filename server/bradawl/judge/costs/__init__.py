"""From grades to money: remedies, the plan, the price."""
