/** Changes of the document's text in place; fetched with the first change. */
export { editText } from '@beakertide/demonstration/edit'
