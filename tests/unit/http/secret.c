/* Secrets: long, different each time, and passwords that are told apart. */
#include "http/secret.h"

#include <criterion/criterion.h>

#include <errno.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

static void begin(void)
{
    cr_assert(secret_init());
}

TestSuite(secret, .timeout = 60, .init = begin);

Test(secret, is_new_each_time_and_fit_for_a_header)
{
    char one[SECRET_TEXT_SIZE], other[SECRET_TEXT_SIZE];
    secret_new(one);
    secret_new(other);
    cr_expect_str_neq(one, other);
    cr_expect_eq(strlen(one), 43, "256 bits, six a character");
    cr_expect_eq(strspn(one, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"),
                 43);
}

Test(secret, digest_is_blake2b_256)
{
    char text[DIGEST_TEXT_SIZE];
    digest_text(text, "", 0);
    cr_expect_str_eq(text, "0e5751c026e543b2e8ab2eb06099daa1d1e5df47778f7787faab45cdf12fe3a8");
    digest_text(text, "abc", 3);
    cr_expect_str_eq(text, "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
}

Test(secret, passwords_match_their_own_hash_only)
{
    char hash[PASSWORD_HASH_SIZE], again[PASSWORD_HASH_SIZE];
    cr_assert(password_hash(hash, "four strong rye loaves"));
    cr_expect_eq(strncmp(hash, "$argon2id$", 10), 0);
    cr_expect(password_matches(hash, "four strong rye loaves"));
    cr_expect_not(password_matches(hash, "four strong rye loave"));
    cr_expect_eq(errno, 0);
    cr_expect_not(password_matches(hash, ""));
    cr_assert(password_hash(again, "four strong rye loaves"));
    cr_expect_str_neq(hash, again, "salted");
}

Test(secret, nobody_has_no_password)
{
    cr_expect_not(password_matches(NULL, ""));
    cr_expect_eq(errno, 0);
    cr_expect_not(password_matches("", ""));
    cr_expect_not(password_matches("not a hash", "not a hash"));
    cr_expect_eq(errno, 0);
}

static double seconds_of(const char *hash)
{
    struct timespec begun, ended;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &begun);
    for (int i = 0; i < 5; i++)
        password_matches(hash, "some password");
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &ended);
    return (double)(ended.tv_sec - begun.tv_sec) + (double)(ended.tv_nsec - begun.tv_nsec) / 1e9;
}

Test(secret, a_name_cannot_be_told_by_the_time)
{
    char hash[PASSWORD_HASH_SIZE];
    cr_assert(password_hash(hash, "another password"));
    double known = seconds_of(hash), unknown = seconds_of(NULL);
    cr_expect_gt(unknown, known / 2);
    cr_expect_lt(unknown, known * 2);
}
