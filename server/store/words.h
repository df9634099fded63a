/* Words that stand for the values of an enum, in the database and on the wire. */
#ifndef MORROWLOAF_STORE_WORDS_H
#define MORROWLOAF_STORE_WORDS_H

/* The place of a word in a list that ends with NULL. The schema's constraints allow no other word,
 * so a word that is not there is a defect and reads as the first. */
int word_index(const char *const words[], const char *word);

#endif
