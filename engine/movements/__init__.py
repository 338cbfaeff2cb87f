"""What body, kit and room allow: the library, tempo, joints, substitutes, what is left out after pain."""
