/** The take view's texts. */
export const take = {};
