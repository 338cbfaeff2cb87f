"""What the application needs from outside, each as a Protocol with its adapters: the clock, the page, the cues."""
