/* Reads a password. The terminal gets its echo back however this ends: a signal that ends the
 * program meanwhile restores it first. */
#include "password.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

static struct termios terminal_before;

static void restore_and_end(int signal_number)
{
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &terminal_before);
    signal(signal_number, SIG_DFL);
    raise(signal_number);
}

static bool hide_typing(void)
{
    struct termios hidden;
    if (!isatty(STDIN_FILENO) || tcgetattr(STDIN_FILENO, &terminal_before) != 0) return false;
    signal(SIGINT, restore_and_end);
    signal(SIGTERM, restore_and_end);
    hidden = terminal_before;
    hidden.c_lflag &= (tcflag_t)~ECHO;
    fputs("Password (it is not shown): ", stderr);
    return tcsetattr(STDIN_FILENO, TCSAFLUSH, &hidden) == 0;
}

static void show_typing(void)
{
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &terminal_before);
    signal(SIGINT, SIG_DFL);
    signal(SIGTERM, SIG_DFL);
    fputc('\n', stderr);
}

/* Characters of UTF-8 text: every byte but those that continue one. */
static size_t count_characters(const char *text)
{
    size_t count = 0;
    for (; *text != '\0'; text++)
        if (((unsigned char)*text & 0xc0) != 0x80) count++;
    return count;
}

const char *password_read(char out[PASSWORD_MAX_BYTES])
{
    bool hidden = hide_typing();
    const char *line = fgets(out, PASSWORD_MAX_BYTES, stdin);
    if (hidden) show_typing();
    if (line == NULL) return "a password is wanted on standard input";
    out[strcspn(out, "\r\n")] = '\0';
    size_t characters = count_characters(out);
    if (characters < PASSWORD_MIN_CHARACTERS) return "a password has at least 10 characters";
    if (characters > PASSWORD_MAX_CHARACTERS) return "a password has at most 200 characters";
    return NULL;
}
