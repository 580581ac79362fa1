"""Where sun, moon, planets, stars and the core of the galaxy are; when they rise, stand highest and set."""
