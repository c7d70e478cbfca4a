"""From inks to colours: what every ink shows, far or near, in every mood and every view."""
