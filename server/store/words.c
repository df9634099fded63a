/* Words for the values of an enum. */
#include "store/words.h"

#include "base/log.h"

#include <stddef.h>
#include <string.h>

int word_index(const char *const words[], const char *word)
{
    for (int i = 0; word != NULL && words[i] != NULL; i++)
        if (strcmp(words[i], word) == 0) return i;
    log_error("the database holds a word that the program does not know");
    return 0;
}
