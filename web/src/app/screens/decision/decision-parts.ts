/** The decision and what a seller may see of it: no start waits for them. */

export { Decision } from "./decision";
export { SellerView } from "./seller-view";
