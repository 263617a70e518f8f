"""What the bench needs: drilling, holding, strength and balance."""
