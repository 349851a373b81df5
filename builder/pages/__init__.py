"""Pages of the site: which sections each has, and in what order. They show what is published, and work nothing out."""
