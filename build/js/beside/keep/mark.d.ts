// The module that the site's build makes: of which make the scripts are (fieldsheet/site/mark.py).
export const MARK: string;
