/** The chanter's state as a shape, recognised without colour: paths in a box of 24 by 24. */
export const SIGNS = {
  ready: "M12 5a7 7 0 1 1 0 14a7 7 0 1 1 0-14Z",
  waiting: "M12 4a8 8 0 1 1 0 16a8 8 0 1 1 0-16Z M12 7.500a4.500 4.500 0 1 0 0 9a4.500 4.500 0 1 0 0-9Z",
  gone: "M6 4 12 10 18 4 20 6 14 12 20 18 18 20 12 14 6 20 4 18 10 12 4 6Z",
  "no driver": "M12 2 22 12 12 22 2 12Z M11 7v6h2V7Z M11 15v2h2v-2Z",
  ended: "M5 5h14v14H5Z",
};
