// The module that the site's build makes of fieldsheet/sky/stars.json.
type StarRow = import("../../../../site_templates/app/core/bodies.js").StarRow;
export const STARS: Record<string, StarRow>;
