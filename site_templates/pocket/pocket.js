// The script of a page that lies in a file of its own: first the shot is chosen, then its page runs as on the site.

import "./choose.js";
import "./first.js";
