/** The sound view's texts. */
export const sound = {};
