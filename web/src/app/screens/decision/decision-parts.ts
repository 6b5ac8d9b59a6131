/** The decision and what a seller may see of it: no start waits for them. */

export { SellerView } from "../seller/seller-view";
export { Decision } from "./decision";
