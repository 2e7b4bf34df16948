"""What the brewing bench needs: costs, the match of brews, cautions."""
