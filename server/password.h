/* Reading a password from standard input. */
#ifndef MORROWLOAF_PASSWORD_H
#define MORROWLOAF_PASSWORD_H

enum {
    PASSWORD_MIN_CHARACTERS = 10,
    PASSWORD_MAX_CHARACTERS = 200,
    PASSWORD_MAX_BYTES = 4 * PASSWORD_MAX_CHARACTERS + 3 /* and its line's end and NUL */
};

/* Reads the first line of standard input; on a terminal asks for it and does not show it. NULL when
 * it will do, else a sentence that says what is wrong. */
const char *password_read(char out[PASSWORD_MAX_BYTES]);

#endif
