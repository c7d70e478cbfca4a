"""What all painters share: noise, scatter, dither, light, forms and edges."""
