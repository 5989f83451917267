/** Changes of the document's text in place; fetched with the first change. */
export { editText, renameInText } from '@beakertide/demonstration/edit'
