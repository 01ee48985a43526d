"""How sure a landing plan is: spread of inputs, probabilities with intervals, rare events, and what matters."""
