// Looks again each second while the sample is made ready; without a script, reloading does it.
setTimeout(() => location.reload(), 1000);
