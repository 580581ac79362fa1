// twin: fieldsheet/plan/plan.py
// What a plan says that it is: known without what works one out.

export const FORMAT = "fieldsheet plan";
export const VERSION = 1;
